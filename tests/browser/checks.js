// What a person would trip over, measured on the page as it is drawn; each function returns what is wrong, one line each.

const SMALLEST = 48, LEAST_CONTRAST = 7, ROUNDING = 0.5

const shown = element => element.checkVisibility({ visibilityProperty: true }) && element.getClientRects().length > 0
const told = element => `<${element.tagName.toLowerCase()}${element.id ? ' #' + element.id : ''} class="${element.getAttribute('class') || ''}"> ${(element.textContent || element.value || '').trim().slice(0, 40)}`
const unseen = element => element.closest('.unseen, .skip, [hidden], [aria-hidden="true"]')

const INTERACTIVE = 'a[href], button, input:not([type="hidden"]), select, textarea, summary, [tabindex="0"], svg a'
const interactive = () => [...document.querySelectorAll(INTERACTIVE)].filter(each => shown(each) && !unseen(each) && !each.disabled)

/** A link inside a sentence is as high as the sentence. */
function inSentence(element) {
  if (element.tagName.toLowerCase() !== 'a' || getComputedStyle(element).display !== 'inline') return false
  return [...element.parentElement.childNodes].some(each => each !== element && each.nodeType === Node.TEXT_NODE && /\p{L}/u.test(each.data))
}

/** How far a finger may miss the middle of an element on one side and still hit it. */
function reach(element, x, y, dx, dy) {
  let far = 0
  while (far < SMALLEST && element.contains(document.elementFromPoint(x + dx * far, y + dy * far))) far += 1
  return far
}

function touched(element) {
  const { width, height } = element.getBoundingClientRect()
  if (width >= SMALLEST - ROUNDING && height >= SMALLEST - ROUNDING) return { width, height }
  element.scrollIntoView({ block: 'center', inline: 'center' })
  const box = element.getClientRects()[0], x = box.x + box.width / 2, y = box.y + box.height / 2
  const across = (dx, dy) => reach(element, x, y, dx, dy) + reach(element, x, y, -dx, -dy)
  return { width: Math.max(width, across(1, 0)), height: Math.max(height, across(0, 1)) }
}

function smallTargets() {
  return interactive().filter(element => !inSentence(element) && element.getAttribute('role') !== 'region').flatMap(element => {
    const { width, height } = touched(element.closest('label') || element)
    const small = width < SMALLEST - ROUNDING || height < SMALLEST - ROUNDING
    return small ? [`${width.toFixed(0)} x ${height.toFixed(0)} px: ${told(element)}`] : []
  })
}

function colour(written) {
  const parts = (written.match(/[\d.]+/g) || []).map(Number)
  return parts.length < 3 ? [0, 0, 0, 0] : [parts[0], parts[1], parts[2], parts[3] ?? 1]
}

function over(above, below) {
  return [0, 1, 2].map(i => above[i] * above[3] + below[i] * (1 - above[3])).concat(1)
}

function luminance(rgb) {
  const [red, green, blue] = rgb.map(part => part / 255).map(part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4)
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

function contrast(first, second) {
  const [light, dark] = [luminance(first), luminance(second)].sort((a, b) => b - a)
  return (light + 0.05) / (dark + 0.05)
}

/** The colour behind a point of an element: of HTML by its ancestors, inside a picture by what is drawn below it there. */
function behind(element, x, y) {
  const layers = []
  if (element.ownerSVGElement) {
    const stack = document.elementsFromPoint(x, y)
    for (const each of stack.slice(stack.indexOf(element) + 1)) {
      const style = getComputedStyle(each)
      if (!each.ownerSVGElement) break
      if (['text', 'tspan', 'g'].includes(each.tagName) || style.fill === 'none' || style.fill.startsWith('url')) continue
      layers.push([...colour(style.fill).slice(0, 3), Number(style.opacity) * Number(style.fillOpacity)])
    }
  }
  for (let each = element.ownerSVGElement || element; each; each = each.parentElement) layers.push(colour(getComputedStyle(each).backgroundColor))
  return layers.reverse().reduce((below, above) => over(above, below), [255, 255, 255, 1])
}

function faintText() {
  const faint = new Map()
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (walk.nextNode()) {
    const element = walk.currentNode.parentElement
    if (!walk.currentNode.data.trim() || !shown(element) || unseen(element) || element.closest('title, desc, option, script, style, :disabled')) continue
    const range = document.createRange()
    range.selectNodeContents(walk.currentNode)
    const box = range.getBoundingClientRect()
    if (element.ownerSVGElement) element.scrollIntoView({ block: 'center' })
    const here = element.ownerSVGElement ? range.getBoundingClientRect() : box
    const style = getComputedStyle(element)
    const ground = behind(element, here.x + here.width / 2, here.y + here.height / 2)
    const ink = over(colour(element.ownerSVGElement ? style.fill : style.color), ground)
    const ratio = contrast(ink, ground)
    if (ratio < LEAST_CONTRAST) faint.set(`${ratio.toFixed(1)}: ${ink.slice(0, 3).map(Math.round)} on ${ground.slice(0, 3).map(Math.round)}`, told(element))
  }
  return [...faint].map(([what, where]) => `${what}: ${where}`)
}

/** What a narrow page or large letters push out of sight. */
function lostSideways() {
  const page = document.scrollingElement
  const lost = page.scrollWidth > page.clientWidth ? [`the page is ${page.scrollWidth} px wide in ${page.clientWidth}`] : []
  for (const element of document.querySelectorAll('body *')) {
    if (!shown(element) || unseen(element) || element.closest('svg, select') || !element.firstChild) continue
    const style = getComputedStyle(element)
    if (style.overflowX === 'auto' || style.overflowX === 'scroll') {
      if (element.scrollWidth > element.clientWidth && element.tabIndex < 0 && !element.querySelector(INTERACTIVE)) lost.push(`no keyboard scrolls ${told(element)}`)
    } else if (style.display !== 'inline' && element.scrollWidth > element.clientWidth + 1 && style.overflowX === 'hidden') {
      lost.push(`cut off: ${told(element)}`)
    } else if (!element.closest('.scroll') && element.getBoundingClientRect().right > page.clientWidth + 1) {
      lost.push(`past the edge: ${told(element)}`)
    }
  }
  return lost
}

/** Labels of a narrow box that stand on the next one's. */
function spilled() {
  return [...document.querySelectorAll('a, button, .key, label, th, td, dt')].filter(each => shown(each) && !each.closest('svg'))
    .filter(each => getComputedStyle(each).display !== 'inline' && each.scrollWidth > each.clientWidth + 2)
    .map(each => `${each.scrollWidth} px of words in ${each.clientWidth}: ${told(each)}`)
}

/** Where the focus is now, and what is wrong with how that is seen; null at the end of the page. */
function focused() {
  const element = document.activeElement
  if (!element || element === document.body) return null
  const style = getComputedStyle(element), { x, y, width, height } = element.getBoundingClientRect()
  const at = document.elementFromPoint(Math.min(x + width / 2, innerWidth - 1), y + Math.min(height / 2, 24))
  const wrong = []
  if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) wrong.push('no ring')
  if (y + height < 0 || y > innerHeight) wrong.push('out of sight')
  else if (at && !element.contains(at) && !at.contains(element) && !element.closest('label')?.contains(at)) wrong.push(`under ${told(at)}`)
  element.dataset.reached = 'yes'
  return wrong.map(each => `${each}: ${told(element)}`)
}

/** What the keyboard has not come to: one of each group of choices is enough. */
function unreached() {
  const groups = new Set([...document.querySelectorAll('[data-reached][type="radio"]')].map(each => each.name))
  return interactive().filter(each => !each.dataset.reached && !(each.type === 'radio' && groups.has(each.name))).map(told)
}

function outOfOrder() {
  return [...document.querySelectorAll('[tabindex]')].filter(each => each.tabIndex > 0).map(told)
}

/** Names that only the program uses, in words for people; what closed lines hold is read too. */
function codeNames() {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  const found = []
  while (walk.nextNode()) {
    const { data, parentElement } = walk.currentNode
    if (parentElement.closest('code, script, style')) continue
    found.push(...(data.match(/(?<![/\w])[a-z]+(?:_[a-z0-9]+)+\b/gi) || []).map(name => `${name}: ${told(parentElement)}`))
  }
  return found
}

/** Keys whose four sides are not alike: another rule took one of them. */
function brokenKeys() {
  const sides = ['Top', 'Right', 'Bottom', 'Left']
  return [...document.querySelectorAll('button, .key')].filter(shown).filter(each => {
    const style = getComputedStyle(each)
    return new Set(sides.map(side => style[`border${side}Width`] + style[`border${side}Color`])).size > 1
  }).map(told)
}

Object.assign(window, { codeNames, brokenKeys, smallTargets, faintText, lostSideways, spilled, focused, unreached, outOfOrder })
