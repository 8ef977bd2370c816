// What of a brief has the shape that its schema says.  An address may say anything: what has not is left to
// the desk to refuse, and no field shows it.
export function shaped(value, given, defs) {
  const its = given.$ref ? defs[given.$ref.split("/").pop()] : given;
  for (const kind of its.anyOf || [its]) {
    const found = fit(value, kind, defs);
    if (found !== undefined) return found;
  }
  return undefined;
}

function fit(value, kind, defs) {
  const list = Array.isArray(value), plain = value !== null && typeof value === "object" && !list;
  if (kind.$ref) return shaped(value, kind, defs);
  if (kind.type === "object") return plain ? Object.fromEntries(known(value, kind, defs)) : undefined;
  if (kind.type !== "array") return typeof value === (kind.type === "integer" ? "number" : kind.type || "string") ? value : undefined;
  if (!list) return undefined;
  const inner = value.map((one, n) => shaped(one, kind.prefixItems?.[n] || kind.items || {}, defs));
  const whole = !inner.includes(undefined) && (!kind.prefixItems || value.length === kind.prefixItems.length);
  return whole ? inner : undefined;
}

const known = (value, { properties = {} }, defs) => Object.entries(value).filter(([key]) => Object.hasOwn(properties, key))
  .map(([key, one]) => [key, shaped(one, properties[key], defs)]).filter(([, one]) => one !== undefined);
