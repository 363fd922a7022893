"""After the order: the works test, its certificate, the site, the service."""
