"""What the buyer sent: read, complete, ask."""
