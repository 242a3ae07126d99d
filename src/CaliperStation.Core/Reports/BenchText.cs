using CaliperStation.Core.Bench;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>What the bench tells, in words: the lines of the plain bench, and the message of the screen. Not yet escaped.</summary>
public static class BenchText
{
    /// <summary>The lines, each with the word that it begins with.</summary>
    /// <param name="said">What is told.</param>
    /// <param name="show">The bench's unit.</param>
    public static IEnumerable<(string Kind, string Words)> Lines(Said said, LengthDisplay show)
    {
        string words = Words(said, show);
        switch (said)
        {
            case Said.Asked { Want: var want }:
                string? caution = want.Prompt switch
                {
                    Prompt.See look => look.Look.Caution,
                    Prompt.Read read => read.Step.Caution,
                    _ => null,
                };
                return caution is null || want.SameCoat is not null || want.Warning is not null ? [(KindOf(want), words)] : [("caution", caution), (KindOf(want), words)];
            case Said.Advised { Move.WillBreak: { Count: > 0 } broken }:
                return [("caution", Cautions.Pins), ("move", words), ("mind", $"that move will push outside: {Ids(broken)}")];
            case Said.Advised:
                return [("caution", Cautions.Pins), ("move", words)];
            case Said.SeeTo { Line.Caution: { } minded }:
                return [("caution", minded), ("see to", words)];
            default:
                return words.Length == 0 ? [] : [(KindOf(said), words)];
        }
    }

    /// <summary>One or two sentences; empty for what has nothing to say in words.</summary>
    public static string Words(Said said, LengthDisplay show) => said switch
    {
        Said.Asked asked => Ask(asked.Want, show),
        Said.Questioned { Question: var question } => $"{question.Id}: {question.Ask} ({string.Join(", ", question.Answers)}; Enter for {question.Answers[0]})",
        Said.Took took => $"{took.Step.Name}: {LengthFormat.Show(took.Reading.Value, show)}, {FileWords.Of(took.Reading.Source)}{(took.Take > 1 ? FormattableString.Invariant($", take {took.Take}") : "")}{(took.ExpectedAfterMove is { } should ? $"; after the move it should be {LengthFormat.Show(should, show)}" : "")}",
        Said.Judged { Standard: var standard, Judgement: var judged } => $"{StandardWords.Relation(standard, judged.Relation.Id, judged.Steps)}: {VerdictText.Detail(judged, show)}{VerdictText.WhyNotTold(standard, judged)}",
        Said.Advised advised => Move(advised.Plan, advised.Move, show),
        Said.Remarked remarked => remarked.Words,
        Said.SeeTo see => see.Line.Ask,
        Said.Displaced { Plan.Standard: var standard, Pose: var pose } => AdviceText.OffPlace(standard, pose) is { Length: > 0 } off ? $"{standard.NameOf(pose.Item)}: {off}" : "",
        Said.Confirmed => "",
        Said.NotSo not => $"{not.Look.Ask}: no; set it right, and look again",
        Said.Begun begun => $"{begun.Look.Ask}: {Sitting.Left(begun.Look.Wait ?? TimeSpan.Zero)} from now",
        Said.TimeIsOver over => $"the time is over: {over.Look.Ask}",
        Said.Unconfirmed => "the line is asked again",
        Said.PinMoved moved => $"{moved.Plan.Standard.NameOf(moved.Pin.Item)}, {moved.Pin.Move.Name}: {(moved.IsTakenBack ? "not moved" : "moved")}",
        Said.Withdrawn withdrawn => $"{withdrawn.Step.Name} is to be read again",
        Said.Moved moved => $"{string.Join(", ", moved.Items.Select(moved.Plan.Standard.NameOf))}{(moved.MakesStale ? "" : ": nothing that hangs on it was read yet, so nothing is to be read again")}",
        Said.Stale stale => $"to be read again: {string.Join(", ", stale.Steps.Select(stale.Standard.StepName))}",
        Said.SetAside aside => $"{Ids(aside.Relations)}; the record will not be verified",
        Said.Refused refused => refused.Why,
        Said.HoldStill => "hold still: the caliper is moving",
        Said.Waits => "the caliper's value is waited for: hold still",
        Said.Warned warned => $"{warned.Step.Name} {LengthFormat.Show(warned.Reading.Value, show)} ({LengthFormat.Show(warned.Reading.Value, LengthDisplay.Millimetre)}): {warned.Warning.Words}",
        Said.Narrow narrow => VerdictText.Narrow(narrow.UnverifiableTolerance),
        Said.Lost lost => $"{lost.Words} Typed lengths are taken all the while.",
        Said.Back back => back.Again ? "The caliper is back." : "The caliper's line is open.",
        Said.Noted noted => Note(noted),
        Said.BadFrame bad => $"not a reading: {bad.Words} [{bad.Raw}]",
        Said.Diagnosed diagnosed => diagnosed.Words ?? "The caliper's line is right again.",
        Said.Practice => "Pretended readings: what is filed here is for practice, never verified and never ready.",
        Said.Resumed resumed => Resumed(resumed.Resume),
        Said.HandIs hand => $"{hand.Hand} measures from here on",
        Said.TagIs tag => $"this blouse is {tag.Tag}",
        Said.Abandoned abandoned => $"the sitting is given up, no record is made of it: {abandoned.Reason}",
        Said.Compared compared => RemeasurementText.Detail(compared.Comparison, show, compared.Standard),
        Said.Invalidates what => RemeasurementText.Detail(what.Invalidated, what.Standard),
        Said.Kept kept => $"{kept.Step.Name}, {FileWords.Of(kept.Reading.Source)}",
        Said.StudyDone { Study: var study } => Done(study),
        Said.Checked point => $"{At(point.Point)}: shows {LengthFormat.Show(point.Point.Shown, LengthDisplay.Millimetre)}, error {Signed(point.Point.Error)}, {FileWords.Of(point.Reading.Source)}",
        Said.CheckDone done => Done(done.Check),
        Said.Closed closed => Closed(closed, show),
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    private static string KindOf(Said said) => said switch
    {
        Said.Questioned => "question",
        Said.Took => "took",
        Said.Judged judged => RecordWords.Of(judged.Judgement.Verdict),
        Said.Remarked => "mind",
        Said.SeeTo => "see to",
        Said.Displaced => "lies",
        Said.Withdrawn or Said.Unconfirmed => "again",
        Said.NotSo => "not so",
        Said.Begun => "begun",
        Said.TimeIsOver => "mind",
        Said.PinMoved => "pin",
        Said.Moved => "moved",
        Said.Stale => "stale",
        Said.SetAside => "aside",
        Said.Refused => "refused",
        Said.HoldStill or Said.Waits => "wait",
        Said.Warned => "doubt",
        Said.Narrow => "narrow",
        Said.Lost => "lost",
        Said.Back => "back",
        Said.Noted or Said.BadFrame or Said.Diagnosed => "caliper",
        Said.Practice => "practice",
        Said.Resumed => "resumed",
        Said.HandIs => "hand",
        Said.TagIs => "tag",
        Said.Abandoned => "abandoned",
        Said.Compared compared => RemeasurementText.Word(compared.Comparison.Agrees),
        Said.Invalidates => "doubtful",
        Said.Kept => "took",
        Said.StudyDone => "done",
        Said.Checked point => point.IsWithin ? "within" : "outside",
        Said.CheckDone done => done.Check.IsWithin ? "within" : "outside",
        Said.Closed => "closed",
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    private static string KindOf(Want want) => want switch
    {
        { SameCoat: not null } => "same",
        { Block: not null } => FormattableString.Invariant($"check [{want.At}/{want.Of}]"),
        { Prompt: Prompt.See { Look.IsReady: true } } => "ready",
        { Prompt: Prompt.See } => "look",
        { Prompt: Prompt.Read { Again: null } } => FormattableString.Invariant($"reading [{want.At}/{want.Of}]"),
        { Prompt: Prompt.Read } => "reading",
        { Prompt: Prompt.Decide } => "decide",
        { Prompt: Prompt.Sign } => "sign",
        _ => "closed",
    };

    /// <summary>What is wanted, in words; the screen's prompt and the lines say the same.</summary>
    public static string Ask(Want want, LengthDisplay show)
    {
        if (want.SameCoat is { } resume)
        {
            return $"{resume.Tag} was left on {Day(resume.Last)}, {Measured(resume)}. Is this the same coat? Say yes, also by three quick presses, or stop";
        }

        string hint = want.Prompt switch
        {
            Prompt.See { Look.Hint: { } technique } => $" ({technique})",
            Prompt.Read { Step.Hint: { } technique } => $" ({technique})",
            _ => "",
        };
        return want.Prompt switch
        {
            _ when want.Warning is { Ways: { Count: > 1 } ways } => $"Which is meant? Type {string.Join(" or ", ways)}",
            _ when want.Warning is { } warning => $"Is {LengthFormat.Show(warning.Reading.Value, show)} meant? {(warning.Reading.Source == ReadingSource.Typed ? "Type it" : "Measure")} again, or say yes, also by three quick presses",
            Prompt.Read read when want.Block is not null => read.Step.Ask,
            Prompt.See look => LookAsk(look, want.Left) + hint + (look.Look.IsReady || want.Left is not null || look.Look.Wait is not null && look.Begun is null ? "" : look.IsNot ? ". Say yes when it is so, moved, or aside and the reason" : ". Yes or no?"),
            Prompt.Read { Again: not null } read => $"{read.Step.Name}: {Sitting.Wanted(read)}: {read.Step.Ask}{hint}",
            Prompt.Read read when want.Outside.Count > 0 => $"{read.Step.Name}: {read.Step.Ask}{hint}; {Ids(want.Outside.Select(judged => judged.Relation.Id).Distinct())} outside: the move still needs this reading",
            Prompt.Read read => $"{read.Step.Name}: {read.Step.Ask}{hint}",
            Prompt.Decide when want.Reason is { } reason => $"Set it aside because \"{reason}\"? A press takes this reason, aside offers the next; or say aside and another reason",
            Prompt.Decide when want.Pin is { } pin => $"{Sitting.Wanted(want.Prompt)}. Now the {pin.Move.Words}; press when it is moved",
            Prompt.Sign when want.Hand.Length > 0 => $"All is read. Sign with the initials of the hand: sign {want.Hand}",
            Prompt.Sign => "All is read. Sign with the initials of the hand.",
            Prompt.Closed => "This sitting is closed.",
            var prompt => Sitting.Wanted(prompt),
        };
    }

    /// <summary>What must hold, and what yes would mean now.</summary>
    public static string LookAsk(Prompt.See look, TimeSpan? left) => look switch
    {
        { IsNot: true } => $"Not so; set it right, then: {look.Look.Ask}",
        { Look.Wait: { } wait, Begun: null } => $"{look.Look.Ask}: this takes {Sitting.Left(wait)}; press when it begins",
        _ when left is { } more => $"{look.Look.Ask}: {Sitting.Left(more)} more",
        _ => look.Look.Ask,
    };

    private static string Move(Plan plan, ItemMove move, LengthDisplay show)
    {
        string then = string.Join(", ", move.Should.Select(pair => $"{plan.Standard.StepName(pair.Step)} {LengthFormat.Show(pair.Should, show)}"));
        string name = plan.Standard.NameOf(move.Item);
        return $"{name}{(name == move.Item ? "" : $" ({move.Item})")}: {string.Join("; ", move.Pins.Select(pin => pin.Words))}{(then.Length == 0 ? "" : $" (then {then})")}";
    }

    private static string Note(Said.Noted noted)
    {
        string words = $"{char.ToUpperInvariant(noted.Words[0])}{noted.Words[1..].TrimEnd('.')}";
        return noted.Kind switch
        {
            NoteKind.LinesLost => $"{words}: what the caliper showed meanwhile is not known.",
            NoteKind.CellLow => $"{words}: change it before the readings begin to wander.",
            _ => $"{words}.",
        };
    }

    private static string Resumed(Resume resume) =>
        $"{resume.Tag} goes on where it was left on {Day(resume.Last)}, {Measured(resume)}{(resume.StandardChanged ? "; the standard has changed since, and it goes on with the old text" : "")}";

    private static string Measured(Resume resume) => FormattableString.Invariant(
        $"{Counted.Of(resume.Readings, "reading")}{(resume.Hands.Count == 0 ? "" : $" by {string.Join(" and ", resume.Hands)}")}");

    private static string Day(DateTimeOffset at) => at.ToString("yyyy-MM-dd HH:mm zzz", System.Globalization.CultureInfo.InvariantCulture);

    private static string Done(CaliperCheck check) => FormattableString.Invariant(
        $"{check.Points.Count} points, largest error {Signed(check.Worst.Error)} at {At(check.Worst)}, permissible there {LengthFormat.ShowExact(check.Permissible.Of(check.Worst.Place).At(check.Worst.Block))}");

    private static string At(CheckPoint point) => $"{LengthFormat.ShowExact(point.Block)}{(point.Place == CheckPlace.Near ? "" : $" {CheckWords.Of(point.Place)}")}";

    private static string Done(StudySitting study)
    {
        IEnumerable<string> left = study.Plan.Hands.Where(hand => study.MissingOf(hand) > 0).Select(hand => FormattableString.Invariant($"{hand} has {study.MissingOf(hand)} to read"));
        return $"{study.Hand} has read all of study {study.Plan.Id}; {string.Join(", ", left.DefaultIfEmpty("so has every hand"))}";
    }

    private static string Closed(Said.Closed closed, LengthDisplay show) => closed.Record.Kind == RecordKind.Sitting
        ? $"record {closed.Record.Id}, {(closed.IsPractice ? $"practice, {(closed.IsAllWithin ? "all within" : "not all within")}: not verified" : closed.Record.IsVerified ? "verified" : "not verified")}"
        : $"record {closed.Record.Id}, {RemeasurementText.Word(closed.IsAllWithin)} {(closed.IsAllWithin ? "with" : "from")} record {closed.Record.OfRecord}{(closed.First is { } first ? $", measured first by {RecordText.Hands(first.Hands, first.Hand)}, now by {RecordText.Hands(closed.Record.Hands, closed.Record.Hand)}" : "")}{RemeasurementText.Differing(closed.Record, show, closed.Standard)}{(closed.IsPractice ? "; practice" : "")}";

    /// <summary>Every digit: an error of a few micrometres is the matter of a check.</summary>
    private static string Signed(Length error) =>
        $"{(error > Length.Zero ? "+" : error < Length.Zero ? "-" : "")}{FormattableString.Invariant($"{error.Abs().Nanometres / 1_000_000m:0.00####}")} mm";

    private static string Ids(IEnumerable<string> ids) => string.Join(", ", ids.Select(Standard.WordsOf));
}
