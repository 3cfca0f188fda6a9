"""Invented readings, from a known truth or a real night's sky, and the mistakes people make."""
