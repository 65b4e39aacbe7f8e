"""Layers round the application, each one thing that every answer gets, calculations and errors alike."""
