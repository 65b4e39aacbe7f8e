"""What callers send and receive: zones, laterals and queries as pydantic models, in SI once validated."""
