"""What should be said about a scenario and its answer: one named function for each remark."""
