"""Exercises of lesson 7."""

EXERCISES = ()
