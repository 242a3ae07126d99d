using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Shape;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Whole;

/// <summary>
/// Whole sittings over five transcribed documents; document, clause and address stand in each file. The files' own rule is
/// plain: the limits are tried to the nanometre.
/// </summary>
public class PublishedSittingTests
{
    private static readonly string Folder = Path.Combine(SourceTree.Root, "tests", "CaliperStation.Core.Tests", "TestData", "published");

    private static IEnumerable<string> Files => Directory.EnumerateFiles(Folder, "*.toml").Select(path => Path.GetFileName(path)!).Order(StringComparer.Ordinal);

    public static TheoryData<string> Documents => [.. Files];

    public static TheoryData<string, LengthUnit> DocumentsInBothUnits
    {
        get
        {
            TheoryData<string, LengthUnit> rows = [];
            foreach (string file in Files)
            {
                rows.Add(file, LengthUnit.Inch);
                rows.Add(file, LengthUnit.Millimetre);
            }

            return rows;
        }
    }

    [Theory]
    [MemberData(nameof(DocumentsInBothUnits))]
    public void At_nominal_a_whole_sitting_is_within_read_in_either_unit(string file, LengthUnit unit)
    {
        foreach (Plan plan in Plans(file))
        {
            Length step = unit == LengthUnit.Inch ? Length.FromNanometres(12_700) : Length.FromMicrometres(10);
            SyntheticBlouse blouse = new(plan, 7, step);
            SittingView view = Run(plan, id => blouse.Gap(id).RoundedTo(step, Rounding.HalfEven), unit);

            Assert.IsType<Prompt.Sign>(view.Prompt);
            Assert.True(view.IsVerified);
            Assert.NotEmpty(view.Judgements);
        }
    }

    [Theory]
    [MemberData(nameof(Documents))]
    public void Each_figure_just_outside_stops_the_sitting_and_just_inside_does_not(string file)
    {
        int figures = 0;
        foreach (Plan plan in Plans(file))
        {
            SyntheticBlouse blouse = new(plan, 7, Length.FromMicrometres(10));
            foreach (Relation relation in plan.Relations.Where(relation => relation.JudgesEach && relation.Kind != RelationKind.Pitch && relation.When?.Parts.OfType<ConditionPart.ValueIs>().Any() != true))
            {
                foreach (string step in relation.Of)
                {
                    foreach ((Length edge, Length outwards) in Edges(relation.Limits))
                    {
                        Judgement Judged(Length value) => Run(plan, id => id == step ? value : blouse.Gap(id), plan.Standard.Unit, until: step)
                            .Judgements.Single(judgement => judgement.Relation.Id == relation.Id && judgement.Steps[0] == step);
                        Assert.Equal(Verdict.Within, Judged(edge).Verdict);
                        Assert.Equal(Verdict.Outside, Judged(edge + outwards).Verdict);
                        Assert.IsType<Prompt.Decide>(Run(plan, id => id == step ? edge + outwards : blouse.Gap(id), plan.Standard.Unit, until: step).Prompt);
                        figures++;
                    }
                }
            }
        }

        Assert.True(figures > 0);
    }

    /// <summary>The outermost ends of what is allowed, each with the nanometre beyond it.</summary>
    private static IEnumerable<(Length Edge, Length Outwards)> Edges(IReadOnlyList<Limits> limits)
    {
        if (limits.All(limit => limit.Lower is not null))
        {
            yield return (limits.Min(limit => limit.Lower!.Value), Length.FromNanometres(-1));
        }

        if (limits.All(limit => limit.Upper is not null))
        {
            yield return (limits.Max(limit => limit.Upper!.Value), Length.FromNanometres(1));
        }
    }

    /// <summary>The file with each answer of each question in turn.</summary>
    private static IEnumerable<Plan> Plans(string file)
    {
        Standard standard = StandardText.Load(File.ReadAllBytes(Path.Combine(Folder, file))).Standard!;
        yield return Plan.For(standard, new Dictionary<string, string>());
        foreach (Question question in standard.Questions)
        {
            foreach (string answer in question.Answers.Skip(1))
            {
                yield return Plan.For(standard, new Dictionary<string, string> { [question.Id] = answer });
            }
        }
    }

    /// <summary>Works the sitting with those gaps to the signature, until something is outside, or until a step was read.</summary>
    private static SittingView Run(Plan plan, Func<string, Length> gap, LengthUnit unit, string? until = null)
    {
        DateTimeOffset at = new(2026, 11, 25, 8, 0, 0, TimeSpan.Zero);
        SittingView view = SittingView.Of(Sitting.Begin(plan, new SittingEvent.Started("s", "T-1", "AB", plan.Standard.Sha256, plan.Answers) { At = at }));
        while (view.Prompt is Prompt.See or Prompt.Read { Again: null })
        {
            SittingCommand command = view.Prompt is Prompt.Read read
                ? new SittingCommand.Take(new Reading(gap(read.Step.Id), unit, Length.FromMicrometres(10), ReadingSource.Serial, at, ""))
                : new SittingCommand.Confirm();
            bool last = (view.Prompt as Prompt.Read)?.Step.Id == until;
            view = SittingView.Of(Sitting.Decide(view, command, at).Events.Aggregate(view.State, Sitting.Apply));
            if (last)
            {
                break;
            }
        }

        return view;
    }
}
