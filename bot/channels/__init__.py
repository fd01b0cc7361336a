"""Channels carry messages in and Replies out; they do not think."""
