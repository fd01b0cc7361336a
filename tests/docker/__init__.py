"""The image, the compose files and the systemd unit, as far as they can be tried without an engine."""
