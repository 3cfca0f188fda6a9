"""The drawings, one module for each lesson or command that has one."""
