/** What every page has beside plain HTML. */

import "/static/news.js"
import "/static/said.js"
