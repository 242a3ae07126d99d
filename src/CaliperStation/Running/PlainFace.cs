using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>How the plain bench speaks: a line for everything that happens. Two of these exist, words and JSON.</summary>
internal interface IPlainFace
{
    /// <summary>What is wanted now.</summary>
    void Prompt(SittingView view);

    /// <summary>What is wanted now; a reading is number <paramref name="at"/> of <paramref name="of"/>.</summary>
    void Prompt(Prompt prompt, int at, int of);

    /// <summary>A question about what this blouse carries, before the sitting begins.</summary>
    void Question(Question question);

    /// <summary>A reading was taken and is on the disk.</summary>
    void Reading(Step step, Reading reading, int take);

    /// <summary>A verdict.</summary>
    void Verdict(Judgement judgement);

    /// <summary>How to move one item.</summary>
    void Advice(Plan plan, ItemMove move);

    /// <summary>What the readings say beside the moves: doubtful readings, rules that contradict.</summary>
    void Remark(string words);

    /// <summary>Where one item lies; told before the signature.</summary>
    void Displaced(Plan plan, ItemPose pose);

    /// <summary>Readings that no longer count.</summary>
    void Stale(IReadOnlyList<string> steps);

    /// <summary>The answer was not taken, and why.</summary>
    void Refused(string why);

    /// <summary>A tolerance that this bench cannot confirm.</summary>
    void Narrow(TooNarrow narrow);

    /// <summary>The record is filed.</summary>
    void Closed(string record, bool verified);

    /// <summary>A step against its first measurement; only after the signature.</summary>
    void Comparison(SecondSitting second, RecordComparison comparison);

    /// <summary>What the steps that have moved make doubtful.</summary>
    void Doubtful(Doubtful doubtful);

    /// <summary>The record of a second measurement is filed.</summary>
    void Closed(Record record);
}
