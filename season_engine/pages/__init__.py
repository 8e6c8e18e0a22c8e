"""The report as a page, and the page that lists all weeks."""
