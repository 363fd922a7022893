"""The interference of a rubber liner: contact, tightness, set and age."""
