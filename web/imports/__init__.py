"""Files that come in: one way for every kind, from the desk and from the API."""
