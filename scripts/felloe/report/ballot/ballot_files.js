"use strict";
/* exported ballotFiles */
// From choices to the whole text of decisions.csv and names.csv, with all that stands in the way.
function ballotFiles(data) {
  const DECISIONS = ["term", "beside", "reason", "decided_on", "decided_by"];
  const NAMES = ["tier", "anchor", "name", "absorbs", "reason", "decided_on", "decided_by"];
  const UNSEEN = /[\p{Cc}\p{Cs}\u202a-\u202e\u2066-\u2069]/u;
  const BLANKS = /^[\s\u200b\u2060\ufeff]+|[\s\u200b\u2060\ufeff]+$/gu;
  const { place, members, words } = data;

  // a replacement text would read "$&" in what people typed as a command: hence a function
  function say(key, values) {
    return words[key].replace(/\{(\w+)\}/g, (whole, name) => (name in values ? values[name] : whole));
  }

  function label(term) {
    return data.label[term] || term;
  }

  function tidy(text) {
    return (text || "").normalize("NFC").replace(BLANKS, "");
  }

  function isDay(text) {
    const made = new Date(text + "T00:00:00Z");
    return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(made.getTime()) && made.toISOString().startsWith(text);
  }

  function isOpen(answer) {
    return !answer || !answer.choice || answer.choice === "open";
  }

  function field(text) {
    return /[",\r\n]|^\s|\s$/.test(text) ? '"' + text.replaceAll('"', '""') + '"' : text;
  }

  function csv(columns, rows) {
    const lines = [columns, ...rows.map((row) => columns.map((name) => row[name] || ""))];
    return lines.map((cells) => cells.map(field).join(",") + "\n").join("");
  }

  function compare(one, other) {
    return one < other ? -1 : one > other ? 1 : 0;
  }

  function sorted(rows, ...names) {
    return [...rows].sort((one, other) => {
      const differs = names.find((name) => one[name] !== other[name]);
      return differs ? compare(one[differs], other[differs]) : 0;
    });
  }

  // As the next run replays decisions: by day; within a day a term that others go beside moves first.
  function replayed(rows) {
    const found = { ...data.ofData };
    const waiting = sorted(rows, "decided_on", "term", "beside");
    while (waiting.length) {
      const today = waiting.filter((row) => row.decided_on === waiting[0].decided_on);
      const moving = new Set(today.map((row) => row.term));
      const next = today.find((row) => !moving.has(row.beside)) || today[0];
      waiting.splice(waiting.indexOf(next), 1);
      if (next.term in found && next.beside in found) found[next.term] = found[next.beside];
    }
    return found;
  }

  function classOf(subclass) {
    return place[members["subclass:" + subclass][0]].class;
  }

  function outcome(answers) {
    const problems = [];
    const notices = [];
    const unkept = {};
    const lacking = new Set();
    const given = [];
    for (const question of data.questions) {
      const answer = answers[question.key];
      const option = !isOpen(answer) && question.options[answer.choice];
      if (!option) continue;
      const one = { question, option, absorbs: answer.absorbs ? "yes" : "no", decided_on: answer.day || "" };
      one.reason = tidy(answer.reason);
      one.decided_by = tidy(answer.role);
      one.name = option.code === "name" ? question.proposal : tidy(answer.name);
      given.push(one);
    }

    function problem(question, key, values) {
      const { number } = question;
      lacking.add(number);
      problems.push({ number, text: say(key, { number, ...values }) });
    }

    // what a choice says that writes no row, and for which nothing need be given
    function leave({ number }, told) {
      unkept[number] = told;
      notices.push(say("unkept", { number, told }));
    }

    function check({ question, option, reason, decided_on, decided_by, name }) {
      if (!reason) problem(question, "lacks_reason");
      if (!isDay(decided_on)) problem(question, "lacks_day");
      const typed = [["reason", reason, data.limits.longest_text], ["role", decided_by, data.limits.longest_label]];
      if (option.code === "other") {
        if (!name) problem(question, "lacks_name");
        typed.push(["name", name, data.limits.longest_label]);
      }
      for (const [which, text, most] of typed) {
        const values = { field: data.fields[which], most };
        if (UNSEEN.test(which === "reason" ? text.replace(/[\n\r\t]/g, " ") : text)) problem(question, "bad_text", values);
        if (/^[=+\-@]/.test(text)) problem(question, "formula", values);
        if ([...text].length > most) problem(question, "too_long", values);
      }
    }

    // where each term goes that a choice moves
    const goes = new Map(given.filter(({ option }) => option.group).map(({ question, option }) => [question.subject, option.group]));

    function leaves(term, tier) {
      return goes.has(term) && (tier === "subclass" || classOf(goes.get(term)) !== place[term].class);
    }

    function staying(tier, group, but) {
      return members[tier + ":" + group].filter((term) => term !== but && !leaves(term, tier));
    }

    // whether what a term goes beside leads back to another one
    function leadsBack(rows, from, to) {
      const passed = new Set();
      for (let at = from; at && !passed.has(at);) {
        passed.add(at);
        const row = rows.find((each) => each.term === at);
        at = row && row.beside;
        if (at === to) return true;
      }
      return false;
    }

    function said({ reason, decided_on, decided_by }) {
      return { reason, decided_on, decided_by };
    }

    function decide() {
      let rows = data.decisions.map((row) => ({ ...row }));
      for (const one of given) {
        const { question, option } = one;
        const { number, subject } = question;
        const term = label(subject);
        if (option.unkept) leave(question, words["unkept_" + option.unkept]);
        if (option.code === "drop") rows = rows.filter((row) => row.term !== subject || row.beside !== option.term);
        if (!option.group && !(option.code === "stay" && option.term)) continue;
        const group = option.group || place[subject].subclass;
        const staid = staying("subclass", group, subject);
        const there = staid.filter((each) => !leadsBack(rows, each, subject));
        const free = there.filter((each) => !data.decisions.some((row) => row.term === each));
        const beside = there.includes(option.term) ? option.term : free[0] || there[0];
        if (!beside && option.group) problem(question, "no_place");
        else if (!beside && staid.length) leave(question, say("unkept_held", { other: label(staid[0]) }));
        else if (!beside) leave(question, words.unkept_moves);
        if (!beside) continue;
        const old = rows.find((row) => row.term === subject);
        if (old) notices.push(say("replaced", { number, term, day: old.decided_on }));
        rows = rows.filter((row) => row !== old);
        rows.push({ term: subject, beside, ...said(one) });
      }
      return sorted(rows, "decided_on", "term");
    }

    // whether each term would end up where it was put, or where it stands
    function follow(rows) {
      const now = replayed(rows);
      const decided = new Set(rows.map((row) => row.term));
      for (const term of Object.keys(place)) {
        const group = goes.get(term) || place[term].subclass;
        const peers = staying("subclass", group, term);
        const peer = peers.find((each) => !decided.has(each)) || peers[0];
        if (!peer || now[peer] === now[term]) continue;
        const row = rows.find((each) => each.term === term);
        const concerned = given.find(({ question }) => question.subject === term)
          || given.find(({ question }) => row && question.subject === row.beside) || given[0];
        if (concerned) problem(concerned.question, "not_there", { term: label(term) });
      }
    }

    function rehung(row) {
      if (!(row.anchor in place) || !leaves(row.anchor, row.tier)) return row;
      const [instead] = staying(row.tier, place[row.anchor][row.tier], row.anchor);
      const values = { name: row.name, term: label(row.anchor), instead: instead && label(instead) };
      if (!instead) notices.push(say("unhung", values));
      else notices.push(say(row.absorbs === "yes" ? "rehung_absorbs" : "rehung", values));
      return instead ? { ...row, anchor: instead, absorbs: "no" } : null;
    }

    function nameGroups() {
      let rows = data.names.map(rehung).filter(Boolean);
      for (const one of given) {
        const { question, option, name } = one;
        if (option.code !== "name" && option.code !== "other") continue;
        const there = staying(question.tier, question.subject);
        const anchor = there.includes(option.term) ? option.term : there[0];
        if (!anchor) {
          problem(question, "group_gone");
          continue;
        }
        rows = rows.filter((row) => row.tier !== question.tier || row.anchor !== anchor);
        if (name && rows.some((row) => row.tier === question.tier && row.name === name)) problem(question, "name_taken", { name });
        rows.push({ tier: question.tier, anchor, name, absorbs: one.absorbs, ...said(one) });
      }
      return sorted(rows, "tier", "anchor");
    }

    function translations() {
      for (const [tier, id] of data.labels) {
        if (!(id in place) || !leaves(id, tier)) continue;
        const [instead] = staying(tier, place[id][tier], id);
        notices.push(say(instead ? "labels" : "labels_gone", { tier, term: label(id), instead }));
      }
    }

    const decisions = decide();
    for (const one of given) if (!(one.question.number in unkept)) check(one);
    follow(decisions);
    const names = nameGroups();
    translations();
    problems.sort((one, other) => one.number - other.number);
    const whole = problems.length === 0;
    return {
      problems,
      notices,
      unkept,
      lacking,
      chosen: given.map(({ question }) => question.number),
      decisions: whole ? csv(DECISIONS, decisions) : "",
      names: whole ? csv(NAMES, names) : "",
    };
  }

  return { outcome, say, isOpen };
}
