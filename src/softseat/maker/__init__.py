"""The maker's own products as a Data Package; the shipped one is invented."""
