/** What every page has beside plain HTML. */

import "/static/news.js"
