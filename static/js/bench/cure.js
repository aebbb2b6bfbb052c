/** The cure clock as a figure of the bench. */
import { clockText, stretched } from "../cure.js"
import { line, plain, to } from "./say.js"

const sized = (quantity, unit) => (quantity ? to(quantity, unit) : null)

/** A label's time in this bay: as in_this_bay of webapp/trade/cure.py. */
export function inThisBay({ label, clock, bay_temperature, bay_humidity, label_temperature, label_humidity, label_path, path }) {
  const found = stretched({
    label: to(label, "min"), clock,
    bayTemperature: to(bay_temperature, "°C"), bayHumidity: bay_humidity.value,
    labelTemperature: sized(label_temperature, "°C") ?? 23, labelHumidity: label_humidity?.value ?? 50,
    labelPath: sized(label_path, "mm"), path: sized(path, "mm"),
  })
  const { minutes, working, cautions, source, validity } = found
  const lines = [
    plain(clock === "open" ? "Close within" : "Wait at least", clockText(minutes)),
    line("The label says", label, minutes < 120 ? "min" : "h", "duration", "0.1"),
  ]
  return { lines, working, source, validity, cautions }
}
