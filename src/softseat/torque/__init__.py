"""What it takes to turn the disc, and what the shaft stands."""
