"""What several questions share: rays against what is meant, the work as it stands, how near things come."""
