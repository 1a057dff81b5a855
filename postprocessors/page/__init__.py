"""What is followed on a screen or printed: a page for each setup, and one for the job."""
