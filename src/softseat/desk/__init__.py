"""The desk: the web face and the HTTP interface. Shows and keeps; computes nothing by itself."""
