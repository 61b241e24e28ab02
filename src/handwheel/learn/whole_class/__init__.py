"""What a class handed in: found, judged in processes that are watched, kept, and told as one report."""
