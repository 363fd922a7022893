"""The shipped enquiry of an invented waterworks."""
