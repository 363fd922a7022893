"""What passes, what is lost, what tears the liner."""
