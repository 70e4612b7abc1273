// Draws what the table under a chart tells; the colours are those of the page, light or dark.
import uPlot from "./uplot/uPlot.js";

const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const DASHES = { dashed: [7, 5], dotted: [2, 4], whole: [] };

const clock = (seconds) => {
  const parts = [seconds / 3600, (seconds / 60) % 60, seconds % 60].map((each) => String(Math.floor(each)).padStart(2, "0"));
  return seconds % 60 ? parts.join(":") : parts.slice(0, 2).join(":");
};

// Round times on the axis, as many as there is room for.
const STEPS_S = [10, 30, 60, 120, 300, 900, 1800, 3600, 7200, 10800, 21600];
const marks = (told) => (plot, _axis, from, to) => {
  if (told.names) return told.x.filter((each) => plot.width > 520 || told.names.length < 8 || each % 2 === 0);
  const step = STEPS_S.find((each) => (to - from) / each <= 6) ?? 21600;
  const found = [];
  for (let at = Math.ceil(from / step) * step; at <= to; at += step) found.push(at);
  return found;
};

const drawn = (told, place) => {
  const ink = colour("--ink");
  const axis = { stroke: ink, grid: { stroke: colour("--edge"), width: 0.4 }, ticks: { stroke: colour("--edge") },
    font: "13px system-ui, sans-serif" };
  const named = (value) => (told.names ? told.names[value] ?? "" : clock(value));
  const says = place.parentElement.querySelector(".at");
  const series = told.series.map((each) => ({
    label: each.words,
    stroke: colour(`--chart-${each.colour}`),
    width: each.width ?? 2,
    dash: DASHES[each.look ?? "whole"],
    fill: each.filled ? colour(`--chart-${each.colour}-fill`) : undefined,
    points: { show: Boolean(each.points), size: 8, fill: colour(`--chart-${each.colour}`) },
    paths: each.steps ? uPlot.paths.stepped({ align: 1 }) : undefined,
  }));
  const bands = (told.bands ?? []).map(([top, bottom, name]) => ({ series: [top, bottom], fill: colour(`--chart-${name}-fill`) }));
  return new uPlot({
    width: place.clientWidth,
    height: 300,
    legend: { show: false },
    cursor: { drag: { x: false, y: false }, y: false },
    scales: { x: { time: false, range: told.names ? [-0.4, told.x.length - 0.6] : undefined }, y: { range: (_, low, high) => [Math.min(0, low), high * 1.05 || 1] } },
    axes: [
      { ...axis, splits: marks(told), values: (_, splits) => splits.map(named) },
      { ...axis, size: 52, label: told.unit, labelSize: 22, labelFont: "13px system-ui, sans-serif" },
    ],
    series: [{}, ...series],
    bands,
    hooks: {
      setCursor: [(plot) => {
        const at = plot.cursor.idx;
        if (at == null) return;
        const parts = told.series.map((each, number) => {
          const value = plot.data[number + 1][at];
          return value == null ? null : `${each.words} ${value} ${each.unit ?? told.unit}`;
        });
        says.textContent = `${named(told.x[at])}: ${parts.filter(Boolean).join(", ")}`;
      }],
    },
  }, [told.x, ...told.series.map((each) => each.values)], place);
};

const shown = async (place) => {
  let answer;
  try {
    answer = await fetch(place.dataset.chart);
  } catch {
    console.info("No signal: the sentence and the table say what the chart would show.");
    return;
  }
  if (!answer.ok) return;
  const told = await answer.json();
  const figure = place.parentElement;
  for (const each of [place, figure.querySelector(".keys"), figure.querySelector(".at")]) each.hidden = false;
  let plot = drawn(told, place);
  new ResizeObserver(() => {
    if (place.clientWidth && place.clientWidth !== plot.width) plot.setSize({ width: place.clientWidth, height: 300 });
  }).observe(figure);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
    plot.destroy();
    plot = drawn(told, place);
  });
};

for (const place of document.querySelectorAll("[data-chart]")) shown(place);
