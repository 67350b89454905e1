"""The app in the browser: input to records, one call to a service, a page; and the same as JSON under /api/."""
