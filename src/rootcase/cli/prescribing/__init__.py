"""What a plan is worked with: choosing, signing, offering."""
