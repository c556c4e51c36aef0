"""The process that serves pages: the page server with a limit, pages made ready ahead, and closed doors."""
