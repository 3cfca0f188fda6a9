"""The class sheet: its quantities, one cell, whole tables, one group's file, safe writing."""
