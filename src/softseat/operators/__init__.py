"""What turns the disc: lever, gear, cylinder, electric; top flange; stroke; fail action."""
