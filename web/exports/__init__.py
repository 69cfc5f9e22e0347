"""All of a club as one archive, for whoever runs it."""
