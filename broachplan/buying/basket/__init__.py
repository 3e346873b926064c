"""The cheapest basket of offers after which the coming jobs are as ready as offers can make them."""
