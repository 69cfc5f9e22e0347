"""What whoever runs the site looks at: readiness, metrics, logs, and the cache processes share."""
