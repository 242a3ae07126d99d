using CaliperStation.Bench;
using CaliperStation.Core.Standards;

namespace CaliperStation.Tests.Whole;

public sealed class QuestionTests : IDisposable
{
    private static readonly string[] _work = ["ok", "1/8", "1/8"];

    /// <summary>What is said when nobody answered whether there is a star.</summary>
    private static readonly string Assumed = BlouseQuestions.Assumed(StandardText.Load(TestStandard.Text).Standard!, []);

    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void I_can_be_asked_what_the_blouse_carries()
    {
        Ran ran = _station.Measure(["maybe", "NO", .. _work, "sign AB"], _station.File("coat.toml", TestStandard.Text), "--ask", "--tag", "QG-1", "--port", "none");

        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(("question", "star"), (ran.Lines[0].GetProperty("kind").GetString(), ran.Lines[0].GetProperty("step").GetString()));
        Assert.Equal("refused", ran.Lines[1].GetProperty("event").GetString());
        Assert.Contains("yes, no", ran.Lines[1].GetProperty("why").GetString(), StringComparison.Ordinal);   // the answers there are
        Assert.DoesNotContain(ran.Events("prompt"), prompt => prompt.GetProperty("step").GetString() == "star-gap");
        Assert.DoesNotContain(Assumed, ran.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void An_empty_line_takes_the_first_answer_and_an_answer_on_the_command_line_is_not_asked_for()
    {
        string coat = _station.File("coat.toml", TestStandard.Text);

        Ran empty = _station.Measure(["", .. _work, "1/4", "sign AB"], coat, "--ask", "--tag", "QG-1", "--port", "none");
        Ran given = _station.Measure([.. _work, "sign AB"], coat, "--ask", "--answer", "star=no", "--tag", "QG-2", "--port", "none");

        Assert.Contains(empty.Events("reading"), reading => reading.GetProperty("step").GetString() == "star-gap");
        Assert.Equal((0, 0), (empty.ExitCode, given.ExitCode));
        Assert.DoesNotContain(given.Events("prompt"), prompt => prompt.GetProperty("kind").GetString() == "question");
    }

    [Theory]
    [InlineData("stop\n")]
    [InlineData("")]
    public void Leaving_at_a_question_begins_nothing(string input)
    {
        Ran ran = _station.Run(input, "measure", _station.File("coat.toml", TestStandard.Text), "--ask", "--tag", "QG-1", "--plain", "--port", "none");

        Assert.Equal(130, ran.ExitCode);
        string journal = Path.Combine(_station.Store, "journal");
        Assert.All(Directory.Exists(journal) ? Directory.GetFiles(journal, "*.jsonl") : [], segment => Assert.DoesNotContain("QG-1", File.ReadAllText(segment), StringComparison.Ordinal));
    }

    [Fact]
    public void Assumed_answers_are_told_when_a_sitting_begins()
    {
        string coat = _station.File("coat.toml", TestStandard.Text);

        Assert.Contains(Assumed, _station.Measure(["stop"], coat, "--tag", "QG-1", "--port", "none").Error, StringComparison.Ordinal);
        Assert.DoesNotContain(Assumed, _station.Measure(["stop"], coat, "--tag", "QG-1", "--port", "none").Error, StringComparison.Ordinal);
    }
}
