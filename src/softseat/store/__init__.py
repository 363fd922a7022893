"""What is kept: enquiries with every change, revisions as issued, overrides, customers' habits, users, who did what and when."""
