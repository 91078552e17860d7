woad combine "Raspberry 12" --mood gloomy
