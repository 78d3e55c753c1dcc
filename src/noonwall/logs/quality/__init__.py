"""What is doubtful about readings, and how much of them is affected."""
