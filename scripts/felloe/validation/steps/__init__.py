"""Steps of this stage that share a job with others."""
