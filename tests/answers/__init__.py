"""Answers are given from a real journal."""
