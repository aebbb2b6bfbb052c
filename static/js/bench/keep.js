/** The bench is kept on the phone by the service worker: see SHELL in static/sw.js. */
navigator.serviceWorker?.register("/sw.js").catch(() => {})
