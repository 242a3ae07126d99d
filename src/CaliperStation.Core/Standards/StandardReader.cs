using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Turns the tree of one file into a standard, section by section, and gathers every fault on the way.</summary>
/// <remarks>
/// Ids come first, so that a name may be used before the line that makes it. Parts that cannot be read are null and no
/// later check speaks of them, so that one slip is one fault. The record is built only when there is none.
/// </remarks>
internal sealed partial class StandardReader
{
    private const int MaxAskLength = 300;

    // Two screens of a terminal at arm's length; longer belongs into the company's own instructions.
    private const int MaxHintLength = 600;

    private readonly TomlTable _root;
    private readonly FaultList _faults;
    private readonly StandardNames _names;
    private readonly MeasureReader _measures;
    private readonly ConditionReader _conditions;
    private readonly TableReader _top;

    internal StandardReader(TomlTable root, FaultList faults)
    {
        _root = root;
        _faults = faults;
        _top = new TableReader(root, StandardFormat.Top, faults, "the file");
        _names = new StandardNames(root, faults);
        Unit = _top.Word<LengthUnit>("unit", [("in", LengthUnit.Inch), ("mm", LengthUnit.Millimetre)]) ?? LengthUnit.Inch;
        Sides = _top.Word<Sides>("sides", [("viewer", Sides.Viewer), ("as-worn", Sides.AsWorn)]) ?? Sides.Viewer;
        _measures = new MeasureReader(Unit, Sides == Sides.AsWorn, faults);
        _conditions = new ConditionReader(_names, _measures, faults);
    }

    private LengthUnit Unit { get; }

    private Sides Sides { get; }

    /// <summary>The standard, or null when there is any fault.</summary>
    internal Standard? Read(string sha256)
    {
        string? name = _top.Text("name", StandardNames.MaxNameLength), edition = _top.Text("edition", StandardNames.MaxNameLength);
        LengthDisplay show = _top.Word<LengthDisplay>("show", Displays) ?? (Unit == LengthUnit.Inch ? LengthDisplay.Ticks : LengthDisplay.Millimetre);
        (JudgingSettings judging, Length? within) = ReadJudging();
        List<Question> questions = ReadQuestions();
        ReadLandmarks();
        List<ReadyLine> ready = ReadReady();
        List<ItemDraft> itemDrafts = SketchItems();
        List<Item> items = ReadItems(itemDrafts);
        List<(StepDraft Draft, Step Step)> steps = ReadSteps(itemDrafts);
        List<(RelationDraft Draft, Relation Relation)> relations = ReadRelations(itemDrafts, [.. steps.Select(pair => pair.Draft)], within);
        new StandardChecks(_root, _names, _faults).Run(itemDrafts, [.. steps.Select(pair => pair.Draft)], [.. relations.Select(pair => pair.Draft)]);
        return _faults.Any ? null : new Standard(
            name!, edition!, Unit, show, Sides, judging, questions, ready, [.. _names.Landmarks.Values], items,
            [.. steps.Select(pair => pair.Step)], [.. relations.Select(pair => pair.Relation)], sha256);
    }

    private static (string, LengthDisplay)[] Displays { get; } =
        [("ticks", LengthDisplay.Ticks), ("fraction", LengthDisplay.Fraction), ("inch", LengthDisplay.Inch), ("mm", LengthDisplay.Millimetre)];

    /// <summary>The tables of one kind, each with its reader; too many, or something else of that name, is a fault.</summary>
    private IEnumerable<TableReader> Tables(TableFormat format)
    {
        TomlNode? node = _root.Find(format.Name)?.Node;
        if (node is null)
        {
            return [];
        }

        if (node is not TomlList list)
        {
            _faults.Add(node.Place, $"{format.Name} is {node.Words}", format.Header);
            return [];
        }

        foreach (TomlNode other in list.Items.Where(item => item is not TomlTable))
        {
            _faults.Add(other.Place, $"{format.Name} holds {other.Words} where a table belongs", format.Header);
        }

        if (list.Items.Count > format.Most)
        {
            _faults.Add(list.Items[format.Most].Place, $"there are {list.Items.Count} {format.Header} tables", $"at most {format.Most}");
        }

        return [.. StandardNames.Tables(_root, format).Select(table => new TableReader(table, format, _faults, StandardNames.LabelOf(table, format)))];
    }
}
