using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>What one blouse must go through: a standard with the questions answered, in the order of work.</summary>
/// <remarks>
/// The order is derived: readiness lines in the order of the file; then sizes of the garment; then items with what they
/// stand on (and what their steps are measured from) before them, and within that the order of the file; then an item's
/// steps in the order of the file. A step or
/// rule whose condition looks at another relation comes after every reading that relation needs; whether it applies is
/// known only then, see <see cref="Standards.Condition"/>.
/// </remarks>
public sealed class Plan
{
    private readonly Dictionary<string, int> _position;

    private readonly Dictionary<string, int> _lookAt;

    private Plan(Standard standard, IReadOnlyDictionary<string, string> answers, List<Look> looks, List<Item> items, List<Step> steps, List<Relation> relations)
    {
        Standard = standard;
        Answers = answers;
        Items = items;
        Steps = steps;
        Relations = relations;
        _position = steps.Select((step, index) => (step.Id, index)).ToDictionary(pair => pair.Id, pair => pair.index);
        _lookAt = looks.ToDictionary(look => look.Id, look => AtOf(look.Place));
        Ready = [.. looks.Where(look => look.IsReady)];
        Looks = [.. looks.Where(look => !look.IsReady && look.Place.When != LookWhen.TouchUp).OrderBy(look => _lookAt[look.Id])];
        TouchUp = [.. looks.Where(look => look.Place.When == LookWhen.TouchUp)];
    }

    /// <summary>The standard.</summary>
    public Standard Standard { get; }

    /// <summary>An answer to every question of the standard.</summary>
    public IReadOnlyDictionary<string, string> Answers { get; }

    /// <summary>The readiness lines that apply, in order.</summary>
    public IReadOnlyList<Look> Ready { get; }

    /// <summary>The looks that apply between the readings and after them, in the order of work.</summary>
    public IReadOnlyList<Look> Looks { get; }

    /// <summary>The looks of a re-check, in the order of the file.</summary>
    public IReadOnlyList<Look> TouchUp { get; }

    /// <summary>The items worn, each after what it stands on.</summary>
    public IReadOnlyList<Item> Items { get; }

    /// <summary>The steps that apply or may yet apply, in the order of work.</summary>
    public IReadOnlyList<Step> Steps { get; }

    /// <summary>The relations that apply or may yet apply, in the order of the file.</summary>
    public IReadOnlyList<Relation> Relations { get; }

    /// <summary>A plan from answers that were checked with <see cref="Answered"/>; questions without an answer take their first.</summary>
    public static Plan For(Standard standard, IReadOnlyDictionary<string, string> answers)
    {
        Standard whole = standard.Whole ?? standard;   // what another coat's plan was fitted to says nothing of this one
        standard = (whole.Counted?.Invoke(answers) ?? whole) with { Judging = standard.Judging };   // which may hold what studies found, and no file does
        Dictionary<string, string> all = standard.Questions.ToDictionary(q => q.Id, q => answers.GetValueOrDefault(q.Id, q.Answers[0]));
        HashSet<string> known = [.. standard.Items.Select(item => item.Id)], wornIds = [];
        bool Worn(string name) => !known.Contains(name) || wornIds.Contains(name);
        bool Applies(Condition? when) => when is null || when.Parts.All(part => part switch
        {
            ConditionPart.AnswerIs a => a.Answers.Contains(all[a.Question]),
            ConditionPart.RowsAre r => Compare(standard.FindItem(r.Item)?.Rows?.RowCount ?? 1, r.Comparison, r.Rows),
            ConditionPart.WornIs w => Worn(w.Item) == w.Worn,
            _ => true,   // a value is known only when it is measured
        });

        wornIds.UnionWith(standard.Items.Where(item => Applies(item.When)).Select(item => item.Id).ToList());   // no item waits for another
        standard = standard with { Whole = whole, Items = [.. standard.Items.Select(item => Standing(item, Worn))] };
        List<Item> worn = [.. standard.Items.Where(item => wornIds.Contains(item.Id))];
        List<Step> steps = [.. standard.Steps.Where(step => Applies(step.When) && Worn(step.Of) && Worn(step.From))];
        HashSet<string> stepIds = [.. steps.Select(step => step.Id)];
        List<Relation> relations = [.. standard.Relations.Where(relation => Applies(relation.When) && relation.Needs.All(stepIds.Contains))];
        steps.RemoveAll(step => standard.Relations.Any(relation => relation.Needs.Contains(step.Id)) && !relations.Exists(relation => relation.Needs.Contains(step.Id)));   // only rules that do not apply asked for it
        List<Item> items = WorkOrder.Items(worn, steps);
        steps = WorkOrder.Steps(items, steps, relations);
        bool IsThere(string of) => wornIds.Contains(of) || steps.Exists(step => step.Id == of);
        return new Plan(standard, all, [.. standard.Looks.Where(look => Applies(look.When) && (look.Place.Of is not { } of || IsThere(of)))], items, steps, relations);
    }

    // On whichever is there; an item whose supports are all missing stands where the first would be.
    private static Item Standing(Item item, Func<string, bool> isWorn) => item.Otherwise.Count == 0 || isWorn(item.StandsOn) || item.Otherwise.FirstOrDefault(support => isWorn(support.StandsOn)) is not { } there
        ? item
        : item with { StandsOn = there.StandsOn, Place = there.Place };

    /// <summary>The position of a step in the order of work, from 0; -1 when it does not apply.</summary>
    public int PositionOf(string step) => _position.GetValueOrDefault(step, -1);

    /// <summary>The position of the first step that comes after a look of this plan; the number of steps when none does.</summary>
    public int PositionOf(Look look) => _lookAt[look.Id];

    /// <summary>Steps and looks as they come at the bench; one of the two is null.</summary>
    public IEnumerable<(Step? Step, Look? Look)> StepsAndLooks
    {
        get
        {
            int looks = 0;
            for (int step = 0; step <= Steps.Count; step++)
            {
                for (; looks < Looks.Count && PositionOf(Looks[looks]) <= step; looks++)
                {
                    yield return (null, Looks[looks]);
                }

                if (step < Steps.Count)
                {
                    yield return (Steps[step], null);
                }
            }
        }
    }

    private int AtOf(LookPlace place)
    {
        int[] at = [.. Enumerable.Range(0, Steps.Count).Where(index => Steps[index].Of == place.Of || Steps[index].Id == place.Of)];
        return place.When == LookWhen.Before ? at.Length > 0 ? at[0] : place.Of is null ? 0 : Steps.Count
            : at.Length > 0 ? at[^1] + 1 : Steps.Count;
    }

    /// <summary>The step of that id, or null when it does not apply.</summary>
    public Step? FindStep(string id) => _position.TryGetValue(id, out int index) ? Steps[index] : null;

    /// <summary>The items that stand on the given one, directly or through others, not itself.</summary>
    public IReadOnlySet<string> ItemsAbove(string item)
    {
        HashSet<string> above = [];
        foreach (Item candidate in Items)   // each after what it stands on, so one pass is enough
        {
            if (candidate.StandsOn == item || above.Contains(candidate.StandsOn))
            {
                above.Add(candidate.Id);
            }
        }

        return above;
    }

    /// <summary>True when a step reads something else that stands on the item, or is measured from it or from what stands on it.</summary>
    public bool StandsOn(Step step, string item) =>
        step.Of != item && ItemsAbove(item) is var above && (step.From == item || above.Contains(step.Of) || above.Contains(step.From));

    /// <summary>The item that a look is at; null for one of all.</summary>
    public string? ItemOf(Look look) => look.Place.Of is { } of ? FindStep(of)?.Of ?? of : null;

    /// <summary>The fault about an answer, or null when the standard knows the question and the answer.</summary>
    public static string? Answered(Standard standard, string question, string answer)
    {
        Question? known = standard.Questions.FirstOrDefault(q => q.Id == question);
        return known is null
            ? $"there is no question {Quote(question)}; this standard asks: {string.Join(", ", standard.Questions.Select(q => q.Id).DefaultIfEmpty("nothing"))}"
            : known.Answers.Contains(answer) ? null : $"{Quote(answer)} is no answer to {question}; say one of: {string.Join(", ", known.Answers)}";
    }

    internal static bool Compare<T>(T left, Comparison comparison, T right) where T : IComparable<T>
    {
        int order = left.CompareTo(right);
        return comparison switch
        {
            Comparison.Less => order < 0,
            Comparison.AtMost => order <= 0,
            Comparison.Equal => order == 0,
            Comparison.AtLeast => order >= 0,
            Comparison.More => order > 0,
        };
    }

    private static string Quote(string text) => $"\"{PrintableText.Escape(text)}\"";
}
