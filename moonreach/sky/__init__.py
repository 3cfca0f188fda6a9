"""Sun, Moon, eclipses and what a place sees of them: for plans, and for the truth of a night.

Nothing here teaches, and nothing is fetched: ERFA's series carry it, from 1900 to 2100.
"""
