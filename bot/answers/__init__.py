"""Answers to questions, one module for each kind."""
