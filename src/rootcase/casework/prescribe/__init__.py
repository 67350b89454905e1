"""What buys most for the client's money and wishes; often nothing."""
