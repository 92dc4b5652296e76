"""solve: a spec becomes a frame, in its plane and in space."""
