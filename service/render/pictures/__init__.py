"""Pictures of an answer for print and screen. Importing one of its modules loads the plotting library: do so late."""
