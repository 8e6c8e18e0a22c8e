"""What a site's temperatures and forecasts are read from, and where they come from as facts."""
