"""The subcommands of `endline`, one file each."""
