"""Steps of the table layout."""
