"""What everything stands on: errors, the clock, versioned records. Three files, and closed."""
