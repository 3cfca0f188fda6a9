"""Exercises of lesson 6."""

EXERCISES = ()
