"""The domain: what a zone does with its water, and what to say about it."""
