"""The partner's screen: pure functions of the view and of the window's size."""
