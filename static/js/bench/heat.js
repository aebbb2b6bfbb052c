/** How long until it is cool enough: the same as answer_cool_down of webapp/trade/heat.py. An estimate from two readings. */
import { Refused, line, number, plain, said, to } from "./say.js"

const OFF = 0.5 // °C that a reading may be off
const DAY = 1440 // min
const SOURCE =
  "Newton's law of cooling: τ = Δt / ln((T₀ − Ta) / (T₁ − Ta)). That readings may be off by half a degree: common practice, no source"
const VALIDITY =
  "Engine off, fan off, still air, both readings at one spot, the bay's temperature steady. Readings at least 2 °C apart"
const CAUTIONS = [
  "An estimate only: measure again before you open or touch anything. The reading decides",
  "The surface may be cooler than what is inside: open no cap because the outside is cool",
]

function degrees(temperature, name) {
  const celsius = to(temperature, "°C")
  if (!(celsius >= -40 && celsius <= 200))
    throw new Refused(`${name} is not between −40 and 200 °C`, "nothing at a vehicle that one waits for is so cold or hot", "Read the thermometer again, and look at its unit")
  return celsius
}

const tauOf = (hot, cooler, minutes, air) => minutes / Math.log((hot - air) / (cooler - air))
const leftOf = (hot, cooler, minutes, air, wanted) =>
  cooler <= wanted ? 0 : tauOf(hot, cooler, minutes, air) * Math.log((cooler - air) / (wanted - air))

/** How long it still takes to cool to a temperature. */
export function coolDown({ first, second, between, bay, target }) {
  const [hot, cooler] = [degrees(first, "the first reading"), degrees(second, "the second reading")]
  const minutes = to(between, "min")
  if (!(minutes >= 1 && minutes <= 240))
    throw new Refused("the time between the readings is not between 1 and 240 min", "too soon, nothing has changed; too late, the bay has", "Take two readings about ten minutes apart")
  const air = degrees(bay, "the bay's temperature")
  if (cooler >= hot) throw new Refused("it is not cooling", "the second reading is no lower than the first", "See that the engine and the fan are off, wait ten minutes and read again")
  if (hot - cooler < 2) throw new Refused("the readings are less than 2 °C apart", "so small a change cannot be told from a slip of the thermometer", "Wait longer and read again")
  if (cooler <= air + OFF)
    throw new Refused(`a reading of ${said(cooler)} °C in a bay of ${said(air)} °C`, "nothing that stands in a bay gets colder than its air", "Read both thermometers again; if they are right, it is cool already")
  const wanted = degrees(target, "the temperature wanted")
  if (wanted < air + 2)
    throw new Refused(`${said(wanted)} °C is not at least 2 °C above the bay's ${said(air)} °C`, "it never gets colder than the air, and the last degrees take for ever", `Ask for ${said(air + 2)} °C or more, or cool the bay`)
  const left = leftOf(hot, cooler, minutes, air, wanted)
  if (left > DAY) throw new Refused("it would take more than a day", "so slow a change cannot be told from two readings", "Leave it overnight and measure again")
  const off = [-OFF, OFF].flatMap((a) => [-OFF, OFF].map((b) => leftOf(hot + a, cooler + b, minutes, air, wanted)))
  const [least, most] = [Math.min(...off), Math.max(...off)]
  const tau = tauOf(hot, cooler, minutes, air)
  const by = [hot, cooler, wanted].map((celsius) => said(celsius - air))
  const working = [
    `Warmer than the bay: ${by[0]} °C at first, then ${by[1]} °C, ${by[2]} °C wanted`,
    `τ = ${said(minutes)} min / ln(${by[0]} / ${by[1]}) = ${said(tau)} min`,
    left > 0 ? `${said(tau)} min × ln(${by[1]} / ${by[2]}) = ${said(left)} min` : `${said(cooler)} °C is no more than ${said(wanted)} °C: it is there`,
    `Least and most: each reading ${number(OFF)} °C off, either way`,
  ]
  const time = (label, value, way) => line(label, { value, unit: "min" }, "min", "duration", "1", way)
  const lines = [time("About", left), time("At least", least, "down"), most <= DAY ? time("At most", most, "up") : plain("At most", "more than a day")]
  return { lines, working, source: SOURCE, validity: VALIDITY, cautions: CAUTIONS }
}
