"""Where results come from: the manifest, what they were made on, the crate."""
