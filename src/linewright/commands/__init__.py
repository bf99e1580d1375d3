"""The commands, one file each; found by listing the package.

Each module has `register(app)`, which adds its command or its group of commands to the program.
Heavy imports stand inside the functions, so that `--help` stays quick.
"""
