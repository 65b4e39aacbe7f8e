"""What it takes to build the zones of a job: counted, rounded up to packages, priced."""
