/** What every page needs beside plain HTML. */

// A list of entries is told "back" where to return to; nothing else is needed here yet.
export {}
