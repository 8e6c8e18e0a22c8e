"""What a command prints, 80 columns wide, and the report as plain text."""
