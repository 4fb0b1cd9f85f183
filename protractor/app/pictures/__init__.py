"""Line drawings of the steps at the deck."""
