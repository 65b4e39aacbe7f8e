"""One answer, many forms: each file turns the document of an answer into one of them, rounded for reading."""
