"""What a user can give: quantities and declared inputs."""
