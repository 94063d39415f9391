"""What really happened on the day: field notes, and where they leave the crew."""
