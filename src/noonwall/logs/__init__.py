"""What loggers and builders wrote down: kept raw, judged, and handed out as series."""
