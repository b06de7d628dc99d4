"""An independent judge of lay.json: reads the two JSON objects, knows nothing of how lays are made."""
