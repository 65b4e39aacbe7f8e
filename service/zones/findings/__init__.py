"""What a designer would say about a solved zone, rule by rule."""
