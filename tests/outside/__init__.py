"""What a program outside this project would run; nothing here imports genhouse."""
