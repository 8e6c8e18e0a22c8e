"""What programs read: JSON with its schemas, tables of CSV, the calendar feed."""
